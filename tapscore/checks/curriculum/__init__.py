"""Rules about the curriculum: areas of learning, never a ladder."""
