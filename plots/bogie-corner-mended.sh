"$PROGRAM" explain scenarios/tram-hall.yaml --at 65,30 --tag "bogie tag" --sheet A4 --quiet --chart plots/bogie-corner-mended.svg > /dev/null
