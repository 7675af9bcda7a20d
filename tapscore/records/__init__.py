"""Each pupil's way in and what was seen, kept apart from stories; a story knows nothing of it."""
