"""Rules about hands: what one adult can do, and who does what."""
