"""The JSON Schema as a file: ``python -m tapscore.storyfile.schema_file`` writes it anew."""

import json

from tapscore.storyfile.shape import story_schema

FILE_NAME = "story.schema.json"


def schema_text() -> str:
    """What stands in ``resources/story.schema.json``."""
    return json.dumps(story_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    from tapscore.resources import resource_path

    resource_path("story.txt").with_name(FILE_NAME).write_text(schema_text(), encoding="utf-8")
