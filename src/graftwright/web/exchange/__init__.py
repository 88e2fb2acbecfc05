"""What goes out to other programs and comes back: tables, maps, cards, addresses with secrets."""
