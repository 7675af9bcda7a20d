"""Write, check, print and rehearse stories that adults tap out on a resonance board."""
