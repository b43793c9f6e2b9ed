"""Activity cards: the model, the file format, its checks, and how a card is rendered."""
