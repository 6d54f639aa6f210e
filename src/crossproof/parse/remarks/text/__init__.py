"""From characters to items: tokens, their mending, the vocabulary, brackets and printed forms."""
