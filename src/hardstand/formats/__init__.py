"""Text to model and back, with line and column; never opens a file."""
