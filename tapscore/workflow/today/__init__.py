"""Today's staff: what is not covered, who could take it, and which cards change."""
