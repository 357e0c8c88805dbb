"""Long runs against the real service, with figures and a verdict: `make soak`, not part of the tests.

``crash``   kill -9 at random moments under load: nothing answered is lost, nothing is there twice
``access``  every route asked for by everybody over HTTP: the matrix, exactly
``fuzz``    100,000 inputs of every kind, bent: no 5xx, no hang, nothing half stored

``crashing``  the parts of the first; ``fuzzing`` those of the last
"""
