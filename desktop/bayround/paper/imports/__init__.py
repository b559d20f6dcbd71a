"""Files that come in: guarded first, then read into plain grids, then understood. Nothing here changes a farm."""
