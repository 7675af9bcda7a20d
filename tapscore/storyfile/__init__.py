"""The story file: plain YAML read into a Story, and written back by splicing."""
