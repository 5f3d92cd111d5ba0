#!/bin/bash
# Run once by the database's image when it makes its cluster: the owner of the tables, and the role that serves
# them. Which tables the latter may touch is said by `migrate --grant-to boardfit_service`.
set -euo pipefail
: "${SECRETS:=/run/secrets}"

psql --quiet --no-psqlrc --set=ON_ERROR_STOP=1 --username="$POSTGRES_USER" --dbname="$POSTGRES_DB" \
    --set=owner_password="$(cat "$SECRETS/owner_password")" \
    --set=service_password="$(cat "$SECRETS/service_password")" \
    --set=database="$POSTGRES_DB" << 'SQL'
CREATE ROLE boardfit_owner LOGIN PASSWORD :'owner_password';
CREATE ROLE boardfit_service LOGIN PASSWORD :'service_password';
ALTER DATABASE :"database" OWNER TO boardfit_owner;
REVOKE ALL ON DATABASE :"database" FROM PUBLIC;
GRANT CONNECT ON DATABASE :"database" TO boardfit_service;
SQL
