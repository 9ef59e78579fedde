"""The gaffer's page: figures against second calculations, words, picture and command."""
