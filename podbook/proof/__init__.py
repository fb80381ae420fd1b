"""The proof: every cell against its reference function, and every formula against the text it should have."""
