"$PROGRAM" sweep scenarios/tram-hall-places.yaml --counts 5:16 --draws 200 --step 1 --sheet A4 --quiet --chart plots/tram-hall-curves.svg > /dev/null
