-- What the last import said of a visit: a file that says the same again undoes no move made since.
alter table visit add column imported jsonb;
