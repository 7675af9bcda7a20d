"""What the window shows and plays, worked out without Qt."""
