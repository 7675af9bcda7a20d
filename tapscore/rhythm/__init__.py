"""Musical time made into seconds: metre, tempo and the performance."""
