"""Open, save, check and export: shared by command line and editor."""
