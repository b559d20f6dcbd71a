"""Printed pages as frozen descriptions in millimetres: what stands where. `window.page_painting` paints them."""
