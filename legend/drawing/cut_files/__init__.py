"""Write what a cutter is to cut, in the kinds of file that cutters take."""
