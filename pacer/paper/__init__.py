"""What goes onto paper and into picture files: sheets as PDF, figures as SVG. Libraries are imported when asked for."""
