"""The versions of a story to rehearse from, all made in one go."""
