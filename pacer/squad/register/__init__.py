"""The squads on a tablet, and who is here today."""
