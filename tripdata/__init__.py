"""Gets what a person wrote into a trustworthy store: contract, reading, checking, store.

A module imports only modules of the lines above its own, also inside functions:

    errors, foreign_files, former_files, lasting, leftovers, lines, names, own_files, succession
    today, toml_file, units, version
    contract, journal_plan, lock, normals.fetching, problems, text
    hollow, journal, odd_rows, other_files
    book, consequences, discover, schema
    thermometers, thermometers.logger, thermometers.units_named
    numbers, plain, plausible, proof, references, repeats, seal, sink, thermometers.unit_columns
    thermometers.described, thermometers.paste
    moments, thermometers.columns, thermometers.own_records
    thermometers.time_forms, thermometers.times
    photographs, settings, thermometers.clocks, thermometers.shape, values
    guide, header, table_schema, thermometers.candidates
    bulk, data_package, laid_out, thermometers.misplaced
    rows, thermometers.layout
    normals, normals.calendar, normals.columns, normals.distance, thermometers.readings
    normals.harmonics, normals.hours, normals.inventory, thermometers.nights
    thermometers.recognise
    normals.station_file, tracks.climbing, tracks.fixes, tracks.gpx, tracks.results, tracks.speeds
    tracks.days
    tracks.reading
    normals.folder, normals.packaged
    normals.making, normals.named
    normals.keeping
    load, stamps
    store
    check, normals.wanted, start, thermometers.keeping, tracks, tracks.words
    logbook_entry.entry, logbook_entry.inputs, logbook_entry.sheet, tracks.keeping
    logbook_entry.drafts, logbook_entry.dropping, logbook_entry.standing, logbook_entry.writing
    logbook_entry.cells, logbook_entry.telling, logbook_entry.typed
    logbook_entry.not_shown, logbook_entry.wanted
    logbook_entry.reading
    logbook_entry.aside, logbook_entry.beginning, logbook_entry.pairing, logbook_entry.proving
    logbook_entry.composing
    logbook_entry.preparing
    logbook_entry
    demo.dice, demo.tables
    demo.gear, demo.trips, demo.truth
    demo.sky
    demo.packing
    demo.consumption, demo.feeling, demo.mishaps
    demo.life
    demo.writing
    demo
"""
