"""What the lessons show in front of the reader; each lesson's own parts in a module of its name."""
