"""What was swum: the log, learned paces, exports."""
