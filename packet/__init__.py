"""One job file in, one printed work packet out."""

__version__ = "0.1.0"
