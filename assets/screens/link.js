// The connection to the tablet: it comes with the server.
