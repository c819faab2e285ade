"""The server of the page: who may come in, what is read, what is written."""
