"""Rules about comfort: nothing sudden, nothing too much."""
