"""What the sheet asks for, one leaf for each thing that can be changed or recorded."""
