"""Files on the disc: read with a bound, written whole, ours told from others'."""
