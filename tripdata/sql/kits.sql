SELECT item, lower(nfc_normalize(kit)) FROM gear WHERE kit IS NOT NULL
