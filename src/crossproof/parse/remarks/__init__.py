"""The grammar of free remarks, in small parts; `crossproof.parse.remark` puts them together.

From below upward, each knowing only what stands before it:

- `text`: from characters to items: the words and marks that mean something, in order, mended and
  numbered by phrase, clause and sentence. The vocabulary is compiled here, into a tree of phrases
  that unfolds where a remark goes along it.
- `organ`: a state word, the organ it is of, and what denies or grades it.
- `plants`: of which plant is spoken, and which plants differ from others.
- `certainty`: what is asked, expected, said by others, taken back, put right or not looked at.
- `states`: all states mentioned, and the evidence they leave: one state for each plant. Measures.
- `sources`: whether there is a photo, and whether the name rests on flowers: a grammar of its own.

A new way of putting things goes where its question is asked; a new word goes into a TOML file, or
into the rulebook of its group.
"""
