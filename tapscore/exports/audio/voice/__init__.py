"""The spoken story: an offline voice run as a separate program, and recorded lines."""
