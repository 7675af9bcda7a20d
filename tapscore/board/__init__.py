"""What a board does when it is tapped: a relative model, not a measurement.

An orthotropic thin plate on its strips, with pupils on it, struck by hands.  Every level is
relative to a reference tap on the same board; nothing here says what a child will feel.
"""
