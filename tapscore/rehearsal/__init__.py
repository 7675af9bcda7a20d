"""What a recording of a rehearsal tells of the telling: never of a person."""
