-- A whole audit cannot be emptied in one stroke either.
create trigger audit_no_truncate before truncate on audit
  for each statement execute function audit_is_append_only();
