"""What is made of a class record: papers, and everything in readable form."""
