"""The ring flip: saddles between ring shapes, the path between the two chairs, the map of all shapes."""
