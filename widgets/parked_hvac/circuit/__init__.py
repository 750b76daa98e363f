"""A general network solver; it has never heard of a truck."""
