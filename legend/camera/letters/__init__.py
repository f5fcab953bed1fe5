"""Check laid letters in a photograph: a Picture and the pieces of a stencil in, `Placed` out."""
