"""The page of a study: one HTML file that holds everything and asks the network for nothing."""
