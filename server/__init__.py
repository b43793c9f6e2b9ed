"""The Flask app and the command line: they translate, the library decides."""
