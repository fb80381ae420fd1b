"""One cell told of: its formula in words, and what feeds it."""
