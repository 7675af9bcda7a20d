"""The story as frozen values; nothing here reads files or knows about seconds."""
