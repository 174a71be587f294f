"""Paper out: the setup sheet, pictures. From finished results only."""
