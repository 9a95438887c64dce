"""THE READER: look-ups and counting over the ladder sheet, no arithmetic of the trade.

Pure. Each file has a twin of the same name in static/js/reader/, which answers the same on the phone.
"""
