"""The desktop editor; Qt lives here alone."""
