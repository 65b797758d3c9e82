"""What the owner has: lists as people keep them, identified against the catalogue, with counts and condition."""
