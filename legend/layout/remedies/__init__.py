"""Try what might cure a finding before it is offered: values in, tried values out."""
