"""Bytes to disk, whole or not at all, and the containers that films are written in."""
