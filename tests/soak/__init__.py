"""Long runs against the real service, with figures and a verdict: `make soak`, not part of the tests.

``crash``   kill -9 at random moments under load: nothing answered is lost, nothing is there twice
``access``  every route asked for by everybody over HTTP: the matrix, exactly

``crashing``  the parts of the first
"""
