"""The story to hear and tap at home: what sounds from one press to the next, and its page."""
