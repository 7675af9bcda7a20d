"""Rules about one day: they ask the day file, and find nothing without one."""
