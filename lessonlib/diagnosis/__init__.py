"""What readings say about an appliance, or about an element block without its papers."""
