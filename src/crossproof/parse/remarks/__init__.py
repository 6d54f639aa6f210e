"""The grammar of free remarks, in small parts; `crossproof.parse.remark` puts them together."""
