"""The squads of a tablet, and who of them is here today."""
