"""Pages of patterns: looked at, adjusted, given out."""
