"""The first piece: readings in, corrections out, and what the shop learns from them."""
