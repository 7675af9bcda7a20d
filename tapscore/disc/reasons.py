"""What the system says of a file that it does not read or write."""


def reason(error: Exception) -> str:
    """The system's own words, without its number and the path; of other errors what they say."""
    return getattr(error, "strerror", None) or str(error)
