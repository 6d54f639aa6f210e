"""The parts of the name parser: folding, tokens, index, near misses, operands, formulae."""
