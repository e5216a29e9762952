"""Gets what a person wrote into a trustworthy store: contract, reading, checking, store.

A module imports only modules of the lines above its own, also inside functions:

    errors, lines, names, own_files, succession, units, version
    contract, problems, text
    odd_rows, other_files
    book, consequences, discover, schema
    numbers, plain, plausible, proof, references, repeats, seal, sink
    moments
    settings, values
    guide, header
    bulk, laid_out
    rows
    normals, normals.calendar, normals.columns, normals.distance
    normals.harmonics, normals.hours
    normals.station_file, tracks.climbing, tracks.fixes, tracks.gpx, tracks.results, tracks.speeds
    tracks.days
    tracks.reading
    normals.folder, normals.packaged
    normals.making, normals.named
    normals.keeping
    load, stamps
    store
    check, start, tracks, tracks.words
    tracks.keeping
    demo.dice, demo.tables
    demo.gear, demo.trips, demo.truth
    demo.sky
    demo.packing
    demo.consumption, demo.feeling, demo.mishaps
    demo.life
    demo.writing
    demo
"""
