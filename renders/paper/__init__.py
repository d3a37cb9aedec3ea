"""What a picture consists of: shapes, type, colours, styles. Knows no mouth."""
