"""The version of the project."""

VERSION = "0.1.0"
