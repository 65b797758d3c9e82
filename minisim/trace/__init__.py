"""A run written down: every instruction as one JSON line or one sentence, and pictures of what it touched.

`minisim.trace.writer.write_trace` writes one, `minisim.trace.reader.TraceReader` reads it back,
`minisim.trace.picture` draws the memory map and what a run touched of it.
"""
