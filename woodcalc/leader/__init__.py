"""What a leader makes for an evening: worksheets, handouts, pages, copies of the book, a class's answers."""
