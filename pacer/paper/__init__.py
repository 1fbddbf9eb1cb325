"""Paper and picture files: sheets as PDF, figures as SVG. Libraries are imported when needed."""
