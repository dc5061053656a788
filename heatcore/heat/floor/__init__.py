"""How far a floor warms up, and how little that gives a person."""
