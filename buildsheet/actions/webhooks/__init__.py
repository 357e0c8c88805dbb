"""Other systems told of events by post: signed, in order, at least once, tried again with growing pauses.

``receivers``  who is told, added and ended     ``letter``  what is sent, and its signature
``send``       everything that is due           ``post``    one request over the network
"""
