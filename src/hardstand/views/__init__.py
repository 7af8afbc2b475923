"""Values to text; no decisions."""
